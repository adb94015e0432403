"""What an answer may say: a number with its interval held against the thresholds, and the sentences made of it."""
