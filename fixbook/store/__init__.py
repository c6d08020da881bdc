"""Where Markdown comes from and goes to: the only place that opens files of a book."""
