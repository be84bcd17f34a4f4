document.title = "Rowcall office";
