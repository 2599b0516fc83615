"""Every word of the screens, one module a screen: English templates, shown through `words.tongue`."""
