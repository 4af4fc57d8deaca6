#include "tymbal/text/whole_file.h"

#include "tymbal/base/error.h"

#include <cerrno>
#include <csignal>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <sstream>

#include <fcntl.h>
#include <unistd.h>

namespace tymbal {

namespace fs = std::filesystem;

namespace {

/// Devices and pipes cannot be replaced, only written to.
void write_through(const std::string& path, const std::function<void(std::ostream&)>& write) {
    std::ofstream out(path, std::ios::binary);
    if (out) write(out);
    out.close();
    if (!out) throw InputError({path, 0}, "", "could not be written in full");
}

/// Signals that would end the program wait until the file is in place, so that none leaves half a file beside it.
class SignalsHeld {
public:
    SignalsHeld() {
        sigset_t ending;
        sigemptyset(&ending);
        for (const int signal : {SIGINT, SIGTERM, SIGHUP, SIGQUIT}) sigaddset(&ending, signal);
        ::pthread_sigmask(SIG_BLOCK, &ending, &before_);
    }
    ~SignalsHeld() { ::pthread_sigmask(SIG_SETMASK, &before_, nullptr); }
    SignalsHeld(const SignalsHeld&) = delete;
    SignalsHeld& operator=(const SignalsHeld&) = delete;

private:
    sigset_t before_{};
};

bool write_all(int file, const std::string& bytes) {
    for (std::size_t from = 0; from < bytes.size();) {
        const ssize_t taken = ::write(file, bytes.data() + from, bytes.size() - from);
        if (taken < 0 && errno != EINTR) return false;
        if (taken > 0) from += static_cast<std::size_t>(taken);
    }
    return ::fsync(file) == 0;  // before the name changes: a crash must not leave the new name on missing bytes
}

/// @returns what went wrong, null when nothing did; then nothing is left beside the target
const char* put_in_place(const std::string& target, const std::string& bytes) {
    std::string beside = target;
    beside.append(".part").append(std::to_string(::getpid()));
    const int file = ::open(beside.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0666);
    if (file < 0) return "cannot be written; check that the folder exists and may be written";
    const bool written = write_all(file, bytes);
    if (::close(file) == 0 && written && ::rename(beside.c_str(), target.c_str()) == 0) return nullptr;
    ::unlink(beside.c_str());
    return written ? "cannot be put in place of what is there" : "could not be written in full; is the disk full?";
}

}  // namespace

void write_whole(const std::string& path, const std::function<void(std::ostream&)>& write) {
    std::error_code error;
    const fs::file_status status = fs::status(path, error);
    if (fs::is_directory(status)) throw InputError({path, 0}, "", "is a folder; name a file to write");
    if (fs::exists(status) && !fs::is_regular_file(status)) return write_through(path, write);
    // A link stays a link: what it points to is replaced.
    const fs::path real = fs::canonical(path, error);
    const std::string target = error ? path : real.string();
    std::ostringstream text;
    write(text);
    const std::string bytes = text.str();
    const SignalsHeld held;
    if (const char* fault = put_in_place(target, bytes)) throw InputError({path, 0}, "", fault);
}

std::string read_whole(const std::string& path) {
    std::ifstream in(path, std::ios::binary);
    std::ostringstream text;
    if (in) text << in.rdbuf();
    if (!in || fs::is_directory(path))
        throw InputError({path, 0}, "", "cannot be read; give the path of a readable file");
    return text.str();
}

void require_inputs_kept(const std::map<std::string, std::string>& read, const std::string& target) {
    std::error_code ignored;
    for (const auto& [path, role] : read)
        if (!target.empty() && (target == path || fs::equivalent(target, path, ignored)))
            throw InputError({target, 0}, "", "is read by this run (" + role + "); name another file to write");
}

}  // namespace tymbal
