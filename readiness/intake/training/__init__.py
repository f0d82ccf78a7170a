"""Bringing in a training matrix: people down and trainings across, or a line each."""
