"""Blocks to pages of HTML. Untrusted text is cleaned and escaped here on the way to a browser."""
