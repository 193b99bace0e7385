"""What is handed over: a report model without layout, and its writers."""
