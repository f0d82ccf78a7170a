"""What was found: schemes, clocks, inspections, defects and verdicts."""
