"""Core values to styled lines. Untrusted text is cleaned here on the way to a terminal."""
