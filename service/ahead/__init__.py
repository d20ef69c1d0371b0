"""What must be there before it is needed: things made ready, bought, borrowed."""
