// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// A disk that fails, or a machine that stops, at one chosen call: put before the C library by
// LD_PRELOAD. Counted are calls that change a file (not those to standard output and error).
//
//   GW_FAULT="POINT MODE [SEED]"  GW_FAULT_COUNT=file   (the file gets the number of calls)
//
//   before   killed before the call        after    killed after it
//   half     killed after half of a write  power    as before, and of what was written since each
//   full     the call fails, ENOSPC                 file's last sync only some writes stay (SEED)
//   broken   the call fails, EIO
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { LOG_MOST = 4096 };

// One write since the last sync of its file.
typedef struct {
    ino_t file;
    int fd; // a duplicate
    off_t at, old_size;
    size_t length, old_length;
    char *old, *new;
} entry;

static long point = -1;
static char mode[16];
static unsigned seed;
static long calls;
static entry log_of[LOG_MOST];
static size_t logged;

#define REAL(name) ((__typeof__(&name))dlsym(RTLD_NEXT, #name))

__attribute__((constructor)) static void begin(void)
{
    const char *const wish = getenv("GW_FAULT");
    if (wish != NULL) {
        sscanf(wish, "%ld %15s %u", &point, mode, &seed);
    }
}

__attribute__((destructor)) static void end(void)
{
    const char *const path = getenv("GW_FAULT_COUNT");
    FILE *const file = path != NULL ? REAL(fopen)(path, "w") : NULL;
    if (file != NULL) {
        fprintf(file, "%ld\n", calls);
        REAL(fclose)(file);
    }
}

static void stop(void)
{
    kill(getpid(), SIGKILL);
    for (;;) {
        pause();
    }
}

static bool is(const char *what)
{
    return strcmp(mode, what) == 0;
}

// ---------------------------------------------------------------- power

static void keep(int fd, const void *bytes, size_t length, off_t at)
{
    struct stat info;
    if (!is("power") || logged == LOG_MOST || fstat(fd, &info) != 0 || !S_ISREG(info.st_mode)) {
        return;
    }
    entry *const e = &log_of[logged++];
    *e = (entry){.file = info.st_ino,
                 .fd = open("/dev/null", O_RDONLY),
                 .at = at,
                 .old_size = info.st_size,
                 .length = length,
                 .old = malloc(length),
                 .new = malloc(length)};
    char path[64];
    snprintf(path, sizeof path, "/proc/self/fd/%d", fd);
    close(e->fd);
    e->fd = open(path, O_RDWR | O_CLOEXEC);
    const ssize_t got = pread(e->fd, e->old, length, at);
    e->old_length = got > 0 ? (size_t)got : 0;
    memcpy(e->new, bytes, length);
}

static void forget(int fd)
{
    struct stat info;
    size_t left = 0;
    if (fstat(fd, &info) != 0) {
        return;
    }
    for (size_t i = 0; i < logged; i++) {
        if (log_of[i].file == info.st_ino) {
            close(log_of[i].fd);
            free(log_of[i].old);
            free(log_of[i].new);
        } else {
            log_of[left++] = log_of[i];
        }
    }
    logged = left;
}

// Back to what was synced, then those writes that made it, in order.
static void cut_power(void)
{
    for (size_t i = logged; i-- > 0;) {
        const entry *const e = &log_of[i];
        (void)!REAL(pwrite)(e->fd, e->old, e->old_length, e->at);
        (void)!REAL(ftruncate)(e->fd, e->old_size);
    }
    for (size_t i = 0; i < logged; i++) {
        const entry *const e = &log_of[i];
        seed = seed * 1103515245U + 12345U;
        if ((seed >> 16) % 2 == 0) {
            (void)!REAL(pwrite)(e->fd, e->new, e->length, e->at);
        }
    }
    stop();
}

// ---------------------------------------------------------------- the point

// True: the call fails with errno set.
static bool meet(void)
{
    if (++calls != point) {
        return false;
    }
    if (is("before")) {
        stop();
    }
    if (is("power")) {
        cut_power();
    }
    errno = is("full") ? ENOSPC : EIO;
    return is("full") || is("broken");
}

static void leave(void)
{
    if (calls == point && is("after")) {
        stop();
    }
}

static bool at_half(void)
{
    return calls == point && is("half");
}

// ---------------------------------------------------------------- calls

ssize_t pwrite(int fd, const void *bytes, size_t length, off_t at)
{
    if (meet()) {
        return -1;
    }
    if (at_half()) {
        (void)!REAL(pwrite)(fd, bytes, length / 2, at);
        stop();
    }
    keep(fd, bytes, length, at);
    const ssize_t done = REAL(pwrite)(fd, bytes, length, at);
    leave();
    return done;
}

ssize_t pwrite64(int fd, const void *bytes, size_t length, off_t at)
{
    return pwrite(fd, bytes, length, at);
}

ssize_t write(int fd, const void *bytes, size_t length)
{
    if (fd == STDOUT_FILENO || fd == STDERR_FILENO) {
        return REAL(write)(fd, bytes, length);
    }
    if (meet()) {
        return -1;
    }
    if (at_half()) {
        (void)!REAL(write)(fd, bytes, length / 2);
        stop();
    }
    keep(fd, bytes, length, lseek(fd, 0, SEEK_CUR));
    const ssize_t done = REAL(write)(fd, bytes, length);
    leave();
    return done;
}

size_t fwrite(const void *bytes, size_t size, size_t count, FILE *file)
{
    if (file == stdout || file == stderr) {
        return REAL(fwrite)(bytes, size, count, file);
    }
    if (meet()) {
        return 0;
    }
    if (at_half()) {
        REAL(fwrite)(bytes, size, count / 2, file);
        REAL(fflush)(file);
        stop();
    }
    const size_t done = REAL(fwrite)(bytes, size, count, file);
    leave();
    return done;
}

#define CALL(type, failed, name, declared, given, done_first)                                      \
    type name declared                                                                             \
    {                                                                                              \
        if (meet()) {                                                                              \
            return failed;                                                                         \
        }                                                                                          \
        const type done = REAL(name) given;                                                        \
        done_first;                                                                                \
        leave();                                                                                   \
        return done;                                                                               \
    }

CALL(int, -1, fsync, (int fd), (fd), forget(fd))
CALL(int, -1, fdatasync, (int fd), (fd), forget(fd))
CALL(int, -1, ftruncate, (int fd, off_t length), (fd, length), (void)0)
CALL(int, -1, ftruncate64, (int fd, off_t length), (fd, length), (void)0)
CALL(int, -1, unlink, (const char *path), (path), (void)0)
CALL(int, -1, rename, (const char *from, const char *to), (from, to), (void)0)

int fflush(FILE *file)
{
    if (file == stdout || file == stderr || file == NULL) {
        return REAL(fflush)(file);
    }
    if (meet()) {
        return EOF;
    }
    const int done = REAL(fflush)(file);
    leave();
    return done;
}

int fclose(FILE *file)
{
    if (file == stdout || file == stderr) {
        return REAL(fclose)(file);
    }
    const bool fails = meet();
    const int why = errno;
    const int done = REAL(fclose)(file);
    leave();
    errno = fails ? why : errno;
    return fails ? EOF : done;
}
