"""The bench screen: what it shows is a pure function of a state, and the state of its events."""
