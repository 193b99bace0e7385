"""The app in the terminal. Screens ask the open book and tell it; they are told when it changed."""
