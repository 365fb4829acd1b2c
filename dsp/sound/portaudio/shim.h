// Sound cards' libraries write on standard error as they are probed; a user
// should not see that. Between hush and speak it goes nowhere.
void endpin_hush(void);
void endpin_speak(void);
