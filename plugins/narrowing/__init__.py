"""Which check next: from a complaint to the right sheet."""
