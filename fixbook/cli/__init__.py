"""One-shot commands, and the only place that prints."""
