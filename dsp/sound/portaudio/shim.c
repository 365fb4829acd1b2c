#include "shim.h"

#ifndef _WIN32
#include <dlfcn.h>
#include <fcntl.h>
#include <stdio.h>
#include <unistd.h>

static int kept = -1;

// ALSA goes on to write whenever a stream hiccups; its handler is looked up, so
// that nothing needs its headers.
static void nothing(const char *file, int line, const char *function, int err, const char *fmt, ...) {}

static void quiet_alsa(void) {
	int (*set)(void (*)(const char *, int, const char *, int, const char *, ...));
	*(void **)&set = dlsym(RTLD_DEFAULT, "snd_lib_error_set_handler");
	if (set)
		set(nothing);
}

void endpin_hush(void) {
	quiet_alsa();
	fflush(stderr);
	kept = dup(2);
	int null = open("/dev/null", O_WRONLY);
	if (null >= 0) {
		dup2(null, 2);
		close(null);
	}
}

void endpin_speak(void) {
	fflush(stderr);
	if (kept >= 0) {
		dup2(kept, 2);
		close(kept);
		kept = -1;
	}
}
#else
void endpin_hush(void) {}
void endpin_speak(void) {}
#endif
