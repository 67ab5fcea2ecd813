"""Troubleshooting: rule files that lead from a symptom to checks, causes and remedies."""
