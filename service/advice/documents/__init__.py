"""Values to bytes: advice on paper and in spreadsheets."""
