"""How each language writes days and moments; templates and wording name these formats."""
