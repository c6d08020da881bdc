"""The shop's own past jobs behind every write-up."""
