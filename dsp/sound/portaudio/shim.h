#include <portaudio.h>

// Sound cards' libraries write on standard error as they are probed; a user
// should not see that. Between hush and speak it goes nowhere.
void endpin_hush(void);
void endpin_speak(void);

// endpin_look starts PortAudio anew, which alone makes it look again.
PaError endpin_look(void);

PaError endpin_open(PaStream **stream, int device, int input, int channels, double rate, double latency, int slot);
