"""The computing, pure: numbers and frozen dataclasses in, the same out. Imports no other room of the house."""
