"""Plugins: what they can give, how they are loaded, and what happens when one fails."""
