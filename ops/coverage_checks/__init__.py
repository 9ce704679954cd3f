"""Seeded simulations of measurements whose truth is known: does a 95 % interval hold it in 95 of 100?

Every file of this folder with a `rows` function is a section; a new one is found by being there.
"""
