"""Small bench files written by hand in quite different styles."""
