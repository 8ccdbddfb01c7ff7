"""Stage 3: numbers become panels, scores and cuts in the plane."""
