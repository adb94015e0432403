"""Single wheels: from behind and from above, four loads, twist, headings."""
