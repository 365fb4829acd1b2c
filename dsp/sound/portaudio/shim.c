// Where the C library is older than 2.34, what looks a name up everywhere (RTLD_DEFAULT) is shown to those who ask.
#define _GNU_SOURCE
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

// PortAudio writes what failed as a device goes away, from a thread of its own,
// at a time that nobody knows. It does so through C's stderr, which glibc lets be
// another; Go's own goes by the descriptor and is not touched.
static void quiet_c(void) {
#ifdef __GLIBC__
	static FILE *null;
	if (!null && (null = fopen("/dev/null", "w")))
		stderr = null;
#endif
}

void endpin_hush(void) {
	quiet_alsa();
	quiet_c();
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
