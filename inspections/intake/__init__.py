"""Bringing a workbook in: between the plan (register.intake) and the tables.

Stands beside the actions: above models and conditions, below tasks and views.
"""
