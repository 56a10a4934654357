"""The mouth and the exposure behind marks: prior, belief, and what the marks make of both."""
