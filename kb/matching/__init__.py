"""Matching: which article, symptom page or calculator answers a question, and why."""
