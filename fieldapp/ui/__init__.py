"""The tablet: screens stand on widgets, widgets know no desk.  Kivy is imported only below here."""
