"""Every word of the screens, one module a screen: plain text now, one place to translate from later."""
