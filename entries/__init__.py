"""The starter book: write-ups, techniques, their vocabulary and pictures."""
