"""The log is read beside an open panel, by who may only read, and from files set aside."""
