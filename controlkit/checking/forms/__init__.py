"""How an answer of each kind is read: plain data, without a word of what is right.

A check that judges reads by it, and so does one that only says what it read.
"""
