/* Stands between a program and its files: counts, records or spoils what it does under one folder.
 *
 * Loaded with LD_PRELOAD, so that Python, SQLite and every other library go through it.  Nothing happens
 * until shim_arm is called.  Each operation that writes is one step; steps are numbered from 1.
 */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <pthread.h>
#include <signal.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/sendfile.h>
#include <sys/syscall.h>
#include <sys/uio.h>
#include <time.h>
#include <unistd.h>

enum { OFF, COUNT, FAIL, KILL, VANISH, SLOW, LOCKED };
enum { OPEN = 'o', WRITE = 'w', SYNC = 's', CUT = 't', RENAME = 'r', MAKE = 'm', GONE = 'u', LOCK = 'l' };

static int mode, wanted_errno, for_ever, recording = -1;
static long step_now, step_wanted;
static long slow_us;
static char folder[4096], gone[4160], last[512];
static size_t folder_length;
static pthread_mutex_t turn = PTHREAD_MUTEX_INITIALIZER;

#define REAL(name) ((__typeof__(&name))real(#name))
static void *real(const char *name) { return dlsym(RTLD_NEXT, name); }

static int inside(const char *path) {
    return mode != OFF && path && !strncmp(path, folder, folder_length) &&
           (path[folder_length] == '/' || !path[folder_length]);
}

static const char *absolute(int at, const char *path, char *room) {
    if (!path || path[0] == '/') return path;
    ssize_t n;
    if (at == AT_FDCWD) n = getcwd(room, 3000) ? (ssize_t)strlen(room) : -1;
    else {
        char link[64];
        snprintf(link, sizeof link, "/proc/self/fd/%d", at);
        n = readlink(link, room, 3000);
    }
    if (n < 0) return path;
    snprintf(room + n, 1000, "/%s", path);
    return room;
}

/* The file behind a handle, also of one that was opened before anything was armed. */
static const char *file_of(int fd) {
    static __thread char path[4096];
    if (mode == OFF) return NULL;
    char link[64];
    snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
    ssize_t n = readlink(link, path, sizeof path - 1);
    path[n > 0 ? n : 0] = 0;
    return inside(path) ? path : NULL;
}

static void put(const void *bytes, size_t n) {
    for (const char *at = bytes; n;) {
        long done = syscall(SYS_write, recording, at, n);
        if (done <= 0) return;
        at += done, n -= done;
    }
}

static void record(char what, const char *path, const char *other, int64_t at, const void *data, size_t n) {
    if (recording < 0) return;
    uint32_t a = strlen(path), b = other ? strlen(other) : 0;
    uint64_t size = n;
    put(&what, 1), put(&a, 4), put(path, a), put(&b, 4);
    if (b) put(other, b);
    put(&at, 8), put(&size, 8);
    if (n) put(data, n);
}

/* One step.  0: go on; else -1 with errno, and the operation is not done. */
static int step(char what, const char *path) {
    int answer = 0;
    pthread_mutex_lock(&turn);
    if (mode == LOCKED ? what == LOCK : what != LOCK) {
        ++step_now;
        int here = step_now == step_wanted, after = for_ever && step_now > step_wanted;
        if (here) snprintf(last, sizeof last, "%c %s", what, path + folder_length);
        if (mode == KILL && here) syscall(SYS_kill, getpid(), SIGKILL), pause();
        if (mode == VANISH && here) REAL(rename)(folder, gone);
        if ((mode == FAIL || mode == LOCKED) && (here || after)) errno = wanted_errno, answer = -1;
    }
    pthread_mutex_unlock(&turn);
    if (mode == SLOW && (what == WRITE || what == SYNC)) {
        struct timespec rest = {slow_us / 1000000, slow_us % 1000000 * 1000};
        syscall(SYS_nanosleep, &rest, NULL);
    }
    return answer;
}

void shim_arm(int how, const char *path, long at, int error, int ever, const char *log) {
    snprintf(folder, sizeof folder, "%s", path);
    snprintf(gone, sizeof gone, "%s.gone", path);
    folder_length = strlen(folder);
    step_now = 0, step_wanted = at, wanted_errno = error, for_ever = ever, slow_us = how == SLOW ? at : 0;
    last[0] = 0;
    if (log && *log) recording = syscall(SYS_openat, AT_FDCWD, log, O_WRONLY | O_CREAT | O_TRUNC, 0600);
    mode = how;
}
long shim_disarm(void) {
    mode = OFF;
    if (recording >= 0) syscall(SYS_close, recording), recording = -1;
    return step_now;
}
const char *shim_last(void) { return last; }
void shim_note(const char *text) { record('n', text, NULL, 0, NULL, 0); }

static int open_at(int at, const char *name, int flags, int rights) {
    static int (*really)(int, const char *, int, ...);
    if (!really) really = real("openat64");
    char room[4096];
    const char *path = mode == OFF ? NULL : absolute(at, name, room);
    if (!inside(path)) return really(at, name, flags, rights);
    int writes = (flags & (O_CREAT | O_TRUNC)) || (flags & O_ACCMODE) != O_RDONLY;
    if ((writes || wanted_errno == ENOENT || wanted_errno == EIO) && step(OPEN, path)) return -1;
    struct stat before;
    int there = !lstat(path, &before);
    int fd = really(at, name, flags, rights);
    if (fd >= 0 && writes) {
        if (!there) record('c', path, NULL, 0, NULL, 0);
        else if (flags & O_TRUNC) record(CUT, path, NULL, 0, NULL, 0);
    }
    return fd;
}

#define RIGHTS(flags) \
    int rights = 0; \
    if ((flags) & (O_CREAT | O_TMPFILE)) { va_list more; va_start(more, flags); rights = va_arg(more, int); va_end(more); }
int open(const char *path, int flags, ...) { RIGHTS(flags) return open_at(AT_FDCWD, path, flags, rights); }
int open64(const char *path, int flags, ...) { RIGHTS(flags) return open_at(AT_FDCWD, path, flags, rights); }
int openat(int at, const char *path, int flags, ...) { RIGHTS(flags) return open_at(at, path, flags, rights); }
int openat64(int at, const char *path, int flags, ...) { RIGHTS(flags) return open_at(at, path, flags, rights); }

/* A full disk takes the first half of what is written before it says so. */
static ssize_t refused(int fd, const void *data, size_t n, off_t at) {
    int why = errno;
    if (for_ever && why == ENOSPC) {
        if (at < 0) syscall(SYS_write, fd, data, n / 2);
        else syscall(SYS_pwrite64, fd, data, n / 2, at);
    }
    return errno = why, -1;
}

ssize_t write(int fd, const void *data, size_t n) {
    const char *path = file_of(fd);
    if (!path) return syscall(SYS_write, fd, data, n);
    if (step(WRITE, path)) return refused(fd, data, n, -1);
    off_t at = fcntl(fd, F_GETFL) & O_APPEND ? lseek(fd, 0, SEEK_END) : lseek(fd, 0, SEEK_CUR);
    ssize_t done = syscall(SYS_write, fd, data, n);
    if (done > 0) record(WRITE, path, NULL, at, data, done);
    return done;
}
static ssize_t write_at(int fd, const void *data, size_t n, off_t at) {
    const char *path = file_of(fd);
    if (!path) return syscall(SYS_pwrite64, fd, data, n, at);
    if (step(WRITE, path)) return refused(fd, data, n, at);
    ssize_t done = syscall(SYS_pwrite64, fd, data, n, at);
    if (done > 0) record(WRITE, path, NULL, at, data, done);
    return done;
}
ssize_t pwrite(int fd, const void *data, size_t n, off_t at) { return write_at(fd, data, n, at); }
ssize_t pwrite64(int fd, const void *data, size_t n, off64_t at) { return write_at(fd, data, n, at); }
ssize_t writev(int fd, const struct iovec *parts, int n) {
    if (!file_of(fd)) return syscall(SYS_writev, fd, parts, n);
    ssize_t all = 0;
    for (int i = 0; i < n; i++) {
        ssize_t done = write(fd, parts[i].iov_base, parts[i].iov_len);
        if (done < 0) return all ? all : -1;
        all += done;
        if ((size_t)done < parts[i].iov_len) break;
    }
    return all;
}
/* A copy inside the kernel would pass by unseen: the caller copies by hand when it is told so. */
ssize_t sendfile64(int out, int in, off64_t *at, size_t n) {
    if (file_of(out)) return errno = EINVAL, -1;
    return REAL(sendfile64)(out, in, at, n);
}
ssize_t sendfile(int out, int in, off_t *at, size_t n) { return sendfile64(out, in, at, n); }
ssize_t copy_file_range(int in, off64_t *a, int out, off64_t *b, size_t n, unsigned flags) {
    if (file_of(out)) return errno = ENOSYS, -1;
    return syscall(SYS_copy_file_range, in, a, out, b, n, flags);
}

static int synced(int fd, long call) {
    const char *path = file_of(fd);
    if (!path) return (int)syscall(call, fd);
    if (step(SYNC, path)) return -1;
    int done = (int)syscall(call, fd);
    if (!done) record(SYNC, path, NULL, 0, NULL, 0);
    return done;
}
int fsync(int fd) { return synced(fd, SYS_fsync); }
int fdatasync(int fd) { return synced(fd, SYS_fdatasync); }

int ftruncate64(int fd, off64_t size) {
    const char *path = file_of(fd);
    if (path && step(CUT, path)) return -1;
    int done = (int)syscall(SYS_ftruncate, fd, size);
    if (path && !done) record(CUT, path, NULL, size, NULL, 0);
    return done;
}
int ftruncate(int fd, off_t size) { return ftruncate64(fd, size); }

static int renamed(int a, const char *from, int b, const char *to, unsigned flags) {
    char one[4096], two[4096];
    const char *old = mode == OFF ? NULL : absolute(a, from, one), *now = mode == OFF ? NULL : absolute(b, to, two);
    int ours = inside(old) || inside(now);
    if (ours && step(RENAME, inside(now) ? now : old)) return -1;
    int done = (int)syscall(SYS_renameat2, a, from, b, to, flags);
    if (ours && !done) record(RENAME, old, now, 0, NULL, 0);
    return done;
}
int rename(const char *from, const char *to) { return renamed(AT_FDCWD, from, AT_FDCWD, to, 0); }
int renameat(int a, const char *from, int b, const char *to) { return renamed(a, from, b, to, 0); }
int renameat2(int a, const char *from, int b, const char *to, unsigned flags) { return renamed(a, from, b, to, flags); }

int mkdirat(int at, const char *name, mode_t rights) {
    char room[4096];
    const char *path = mode == OFF ? NULL : absolute(at, name, room);
    if (inside(path) && step(MAKE, path)) return -1;
    int done = (int)syscall(SYS_mkdirat, at, name, rights);
    if (inside(path) && !done) record(MAKE, path, NULL, 0, NULL, 0);
    return done;
}
int mkdir(const char *path, mode_t rights) { return mkdirat(AT_FDCWD, path, rights); }

int unlinkat(int at, const char *name, int flags) {
    char room[4096];
    const char *path = mode == OFF ? NULL : absolute(at, name, room);
    if (inside(path) && step(GONE, path)) return -1;
    int done = (int)syscall(SYS_unlinkat, at, name, flags);
    if (inside(path) && !done) record(GONE, path, NULL, 0, NULL, 0);
    return done;
}
int unlink(const char *path) { return unlinkat(AT_FDCWD, path, 0); }
int rmdir(const char *path) { return unlinkat(AT_FDCWD, path, AT_REMOVEDIR); }

static int control(int fd, int what, void *given) {
    const char *path = mode == LOCKED ? file_of(fd) : NULL;
    if (path && (what == F_SETLK || what == F_SETLKW) && ((struct flock *)given)->l_type == F_WRLCK &&
        step(LOCK, path)) return -1;
    return (int)syscall(SYS_fcntl, fd, what, given);
}
int fcntl(int fd, int what, ...) { va_list more; va_start(more, what); void *given = va_arg(more, void *); va_end(more); return control(fd, what, given); }
int fcntl64(int fd, int what, ...) { va_list more; va_start(more, what); void *given = va_arg(more, void *); va_end(more); return control(fd, what, given); }

/* SQLite sleeps between tries of a lock; a lock that is never given need not be waited for. */
int nanosleep(const struct timespec *rest, struct timespec *left) {
    if (mode == LOCKED) return 0;
    return (int)syscall(SYS_nanosleep, rest, left);
}
