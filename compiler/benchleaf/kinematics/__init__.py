"""Gear trains: which wheels, whether they go on, which levers, and what follows for half-nuts and indexing."""
