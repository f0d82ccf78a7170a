"""The invented employer of the demo: five sites, their people and a year of their equipment."""
