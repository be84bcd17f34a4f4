"""What a crew is handed: the sheet of steps of one vehicle and the bundle of a show."""
