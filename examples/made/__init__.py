"""Invented runs for the examples and the tests. Shares nothing with the program that judges them; numpy only."""
