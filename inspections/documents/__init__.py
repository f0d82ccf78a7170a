"""The papers of equipment and its inspections: each with its content, its facts and what it must say."""
