"""Writes bench files at random, as different workshops would leave them, with the truth beside."""
