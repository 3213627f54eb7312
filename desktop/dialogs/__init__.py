"""The few questions that need an answer before work goes on: which file, and what becomes of unsaved changes."""
