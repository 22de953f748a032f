"""A patient who answers: oxygen and nebuliser teaching on mannequins that do not breathe."""
