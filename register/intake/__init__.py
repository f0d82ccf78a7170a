"""Bringing in the workbook a firm already keeps: read it, guess its columns, plan, tell.

Everything here is pure: bytes in, a plan out; no database, no clock, no request. The way through:
reading -> columns (shown, changed, remembered) -> survey -> plan -> (the shell applies) -> leftover.
"""
