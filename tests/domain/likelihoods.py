"""The catalogue's likelihoods, as the tests of causes need them."""

from service import catalogue, causes

LEVELS = causes.levels(catalogue.load())
