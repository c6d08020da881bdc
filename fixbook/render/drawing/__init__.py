"""Drawings made from data: as text for a terminal, as SVG for a page."""
