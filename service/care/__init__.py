"""Looking after what is kept: copies, taking back, a look at the machine, what to install and where."""
