"""Bringing in files about people: what they are trained for, and when they are where."""
