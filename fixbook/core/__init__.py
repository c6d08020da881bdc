"""What fixbook knows: plain values and functions, without files, clock, terminal or engine."""
