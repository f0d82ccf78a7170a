"""Bringing in a rota: lines of a workbook, or the events of a calendar."""
