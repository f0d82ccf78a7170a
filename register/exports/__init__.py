"""Lists as files: CSV, XLSX and ODS, written row by row from one description of their columns."""
