/* Put before a process (LD_PRELOAD), this sees every change of the files in one folder.
 *
 *   cut_at(folder, n, torn)   kill the process, SIGKILL, at its n-th change (from 0):
 *                             before it, or in the middle of the write
 *   cut_record(folder, log)   write down every change instead, for a replay
 *   cut_mark(k)               a mark of the caller's own in that log
 *
 * Linux only: a descriptor's path comes from /proc, the work is done by bare system calls.
 */
#define _GNU_SOURCE
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <sys/types.h>
#include <unistd.h>

enum { MARK, WRITE, TRUNCATE, SYNC, CREATE, UNLINK, RENAME, LINK };

static char folder[4096];
static long left = -1;
static int torn, log_fd = -1;

void cut_at(const char *where, long n, int half) {
  snprintf(folder, sizeof folder, "%s", where);
  left = n;
  torn = half;
}

static void put(const void *data, size_t length) {
  for (const char *at = data; length;) {
    long done = syscall(SYS_write, log_fd, at, length);
    if (done <= 0) _exit(97);
    at += done;
    length -= done;
  }
}

static void record(int kind, const char *path, const char *other, int64_t offset,
                   const void *data, int64_t length) {
  int64_t head[5] = {kind, (int64_t)strlen(path), (int64_t)strlen(other), offset, length};
  put(head, sizeof head);
  put(path, strlen(path));
  put(other, strlen(other));
  if (data) put(data, length);
}

void cut_record(const char *where, const char *log) {
  snprintf(folder, sizeof folder, "%s", where);
  log_fd = syscall(SYS_openat, AT_FDCWD, log, O_CREAT | O_WRONLY | O_APPEND, 0600);
}

void cut_mark(int64_t k) {
  if (log_fd >= 0) record(MARK, "", "", k, NULL, 0);
}

static int inside(const char *path) {
  return *folder && strncmp(path, folder, strlen(folder)) == 0;
}

/* The path of a descriptor, if it is in the folder. */
static int of(int fd, char path[4096]) {
  char name[64];
  if (!*folder) return 0;
  snprintf(name, sizeof name, "/proc/self/fd/%d", fd);
  long n = syscall(SYS_readlinkat, AT_FDCWD, name, path, 4095);
  if (n <= 0) return 0;
  path[n] = 0;
  return inside(path);
}

static int due(void) { return left >= 0 && left-- == 0; }

static void die(void) {
  syscall(SYS_kill, syscall(SYS_getpid), SIGKILL);
  for (;;) pause();
}

static ssize_t write_at(int fd, const void *data, size_t n, off_t at) {
  char path[4096];
  if (of(fd, path)) {
    if (due()) {
      if (torn) syscall(SYS_pwrite64, fd, data, n / 2, at);
      die();
    }
    if (log_fd >= 0) record(WRITE, path, "", at, data, n);
  }
  return syscall(SYS_pwrite64, fd, data, n, at);
}

ssize_t pwrite(int fd, const void *data, size_t n, off_t at) { return write_at(fd, data, n, at); }
ssize_t pwrite64(int fd, const void *data, size_t n, off_t at) { return write_at(fd, data, n, at); }

ssize_t write(int fd, const void *data, size_t n) {
  char path[4096];
  if (of(fd, path)) {
    off_t at = lseek(fd, 0, SEEK_CUR);
    ssize_t done = write_at(fd, data, n, at);
    if (done > 0) lseek(fd, at + done, SEEK_SET);
    return done;
  }
  return syscall(SYS_write, fd, data, n);
}

static void plain(int kind, int fd, int64_t length) {
  char path[4096];
  if (!of(fd, path)) return;
  if (due()) die();
  if (log_fd >= 0) record(kind, path, "", length, NULL, 0);
}

int fsync(int fd) { plain(SYNC, fd, 0); return syscall(SYS_fsync, fd); }
int fdatasync(int fd) { plain(SYNC, fd, 0); return syscall(SYS_fdatasync, fd); }
int ftruncate(int fd, off_t n) { plain(TRUNCATE, fd, n); return syscall(SYS_ftruncate, fd, n); }
int ftruncate64(int fd, off_t n) { plain(TRUNCATE, fd, n); return syscall(SYS_ftruncate, fd, n); }

static void named(int kind, const char *path, const char *other) {
  if (!inside(path) && !inside(other)) return;
  if (due()) die();
  if (log_fd >= 0) record(kind, path, other, 0, NULL, 0);
}

int unlink(const char *path) {
  if (syscall(SYS_faccessat, AT_FDCWD, path, F_OK) == 0) named(UNLINK, path, "");
  return syscall(SYS_unlinkat, AT_FDCWD, path, 0);
}
int rename(const char *old, const char *new) {
  named(RENAME, old, new);
  return syscall(SYS_renameat2, AT_FDCWD, old, AT_FDCWD, new, 0);
}
int link(const char *old, const char *new) {
  named(LINK, old, new);
  return syscall(SYS_linkat, AT_FDCWD, old, AT_FDCWD, new, 0);
}
int linkat(int from, const char *old, int to, const char *new, int flags) {
  named(LINK, old, new);
  return syscall(SYS_linkat, from, old, to, new, flags);
}

static int open_at(int at, const char *path, int flags, mode_t mode) {
  if ((flags & O_CREAT) && inside(path) && syscall(SYS_faccessat, AT_FDCWD, path, F_OK) != 0)
    named(CREATE, path, "");
  return syscall(SYS_openat, at, path, flags, mode);
}

#define OPEN(name)                                   \
  int name(const char *path, int flags, ...) {       \
    va_list more;                                    \
    va_start(more, flags);                           \
    mode_t mode = flags & O_CREAT ? va_arg(more, mode_t) : 0; \
    va_end(more);                                    \
    return open_at(AT_FDCWD, path, flags, mode);     \
  }
OPEN(open)
OPEN(open64)

#define OPENAT(name)                                 \
  int name(int at, const char *path, int flags, ...) { \
    va_list more;                                    \
    va_start(more, flags);                           \
    mode_t mode = flags & O_CREAT ? va_arg(more, mode_t) : 0; \
    va_end(more);                                    \
    return open_at(at, path, flags, mode);           \
  }
OPENAT(openat)
OPENAT(openat64)
