"""What the log teaches: proposals that anybody can read, take, or refuse."""
