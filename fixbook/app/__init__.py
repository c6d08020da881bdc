"""The use cases: open a book, find, show a sheet, calculate, proof. Adapters are built here."""
