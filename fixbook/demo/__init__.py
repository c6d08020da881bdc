"""The book of an invented repair shop: its write-ups, its messy history, its stock list.

Nothing in it is real: no make, no model, no shop, no person. What is random comes from a seed, so
that the same seed gives the same bytes.
"""
