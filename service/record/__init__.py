"""The record: what was done, what each child can now do, what is thin."""
