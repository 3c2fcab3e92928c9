"""The plant that speed and accuracy are measured on, and what the engine is measured against."""
