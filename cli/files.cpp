#include "cli/files.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <filesystem>

#include "parser/disk.hpp"
#include "parser/text/suggest.hpp"

namespace loomward::cli {
namespace {

// Closes what it holds.
struct Descriptor {
    int number;
    explicit Descriptor(int opened) : number(opened) {}
    ~Descriptor() {
        if (number > STDERR_FILENO) ::close(number);
    }
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;
};

std::string reason() {
    return std::strerror(errno);
}

LoadedFile missing(const std::string& path) {
    LoadedFile result{{}, fmt::format("there is no file '{}'", path), {}};
    const std::vector<std::string> names = disk_reader()->beside(path);
    const std::string name = std::filesystem::path(path).filename().string();
    Suggestion nearest(name);
    for (const std::string& other : names) nearest.offer(other);
    if (!nearest.best().empty()) result.help = fmt::format("there is a file '{}'", nearest.best());
    return result;
}

LoadedFile load(int descriptor, const std::string& name) {
    LoadedFile result;
    std::string& text = result.text;
    for (;;) {
        constexpr std::size_t step = std::size_t{1} << 18;
        const std::size_t filled = text.size();
        text.resize(filled + step);
        const ssize_t got = ::read(descriptor, text.data() + filled, step);
        text.resize(filled + static_cast<std::size_t>(std::max<ssize_t>(got, 0)));
        if (got < 0 && errno == EINTR) continue;
        if (got < 0) return {{}, fmt::format("cannot read {}: {}", name, reason()), {}};
        if (got == 0) return result;
        if (text.size() > largest_file_bytes)
            return {{}, fmt::format("{} is larger than {} MiB", name, largest_file_bytes >> 20), {}};
    }
}

std::string write_all(int descriptor, std::string_view bytes) {
    while (!bytes.empty()) {
        const ssize_t written = ::write(descriptor, bytes.data(), bytes.size());
        if (written < 0 && errno == EINTR) continue;
        if (written < 0) return reason();
        bytes.remove_prefix(static_cast<std::size_t>(written));
    }
    return {};
}

std::string write_directly(const std::string& path, std::string_view bytes) {
    const Descriptor file(::open(path.c_str(), O_WRONLY | O_CLOEXEC));
    return file.number < 0 ? reason() : write_all(file.number, bytes);
}

// What a new file would get: everything the umask leaves.
mode_t usual_permissions() {
    const mode_t mask = ::umask(0);
    ::umask(mask);
    return 0666 & ~mask;
}

std::string write_beside(const std::string& path, std::string_view bytes, mode_t permissions) {
    std::string beside = path + ".XXXXXX";
    const Descriptor file(::mkostemp(beside.data(), O_CLOEXEC));
    if (file.number < 0) return reason();
    std::string trouble = write_all(file.number, bytes);
    if (trouble.empty() && ::fchmod(file.number, permissions) != 0) trouble = reason();
    if (trouble.empty() && ::fsync(file.number) != 0 && errno != EINVAL) trouble = reason();
    if (trouble.empty() && ::rename(beside.c_str(), path.c_str()) != 0) trouble = reason();
    if (!trouble.empty()) ::unlink(beside.c_str());
    return trouble;
}

std::string write_somehow(const std::string& path, std::string_view bytes) {
    struct stat status {};
    if (::stat(path.c_str(), &status) != 0) return write_beside(path, bytes, usual_permissions());
    if (S_ISDIR(status.st_mode)) return "it is a folder";
    if (!S_ISREG(status.st_mode)) return write_directly(path, bytes);
    if (::access(path.c_str(), W_OK) != 0) return reason();
    // Through a link the file it leads to is replaced, not the link.
    std::error_code trouble;
    const std::filesystem::path real = std::filesystem::canonical(path, trouble);
    return trouble ? trouble.message() : write_beside(real.string(), bytes, status.st_mode & 07777);
}

}  // namespace

LoadedFile load_file(const std::string& path) {
    if (path == "-") return load(STDIN_FILENO, "standard input");
    const std::string name = fmt::format("'{}'", path);
    struct stat status {};
    if (::stat(path.c_str(), &status) != 0 && (errno == ENOENT || errno == ENOTDIR)) return missing(path);
    if (S_ISDIR(status.st_mode)) return {{}, fmt::format("{} is a folder, not a file", name), {}};
    const Descriptor file(::open(path.c_str(), O_RDONLY | O_CLOEXEC));
    if (file.number < 0) return {{}, fmt::format("cannot read {}: {}", name, reason()), {}};
    return load(file.number, name);
}

std::string replace_file(const std::string& path, std::string_view bytes) {
    const std::string trouble = write_somehow(path, bytes);
    return trouble.empty() ? trouble : fmt::format("cannot write '{}': {}", path, trouble);
}

std::string make_folder(const std::string& path) {
    std::error_code trouble;
    std::filesystem::create_directories(path, trouble);
    if (trouble) return fmt::format("cannot make the folder '{}': {}", path, trouble.message());
    if (!std::filesystem::is_directory(path)) return fmt::format("'{}' is no folder", path);
    return {};
}

bool is_same_file(const std::string& a, const std::string& b) {
    std::error_code unknown;
    return a == b || std::filesystem::equivalent(a, b, unknown);
}

}  // namespace loomward::cli
