#include "tests/cli/program.hpp"

#include <fcntl.h>
#include <pty.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <stdexcept>

namespace program {
namespace {

std::string whole(const std::filesystem::path& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

int opened(const std::filesystem::path& path, int flags) {
    const int descriptor = ::open(path.c_str(), flags | O_CLOEXEC, 0644);
    if (descriptor < 0) throw std::runtime_error("cannot open " + path.string());
    return descriptor;
}

[[noreturn]] void become_program(const Folder& folder, std::vector<std::string> arguments,
                                 const Streams& streams, int input, int output, int trouble) {
    ::dup2(input, 0);
    ::dup2(output, 1);
    ::dup2(trouble, 2);
    if (streams.output_closed) ::close(1);
    if (::chdir(folder.path().c_str()) != 0) ::_exit(126);
    ::unsetenv("NO_COLOR");
    ::setenv("TERM", "xterm", 1);
    for (const auto& [name, value] : streams.environment) ::setenv(name.c_str(), value.c_str(), 1);
    if (streams.memory_bytes > 0) {
        const rlimit limit{streams.memory_bytes, streams.memory_bytes};
        ::setrlimit(RLIMIT_AS, &limit);
    }
    arguments.insert(arguments.begin(), "loomward");
    std::vector<char*> pointers;
    for (std::string& argument : arguments) pointers.push_back(argument.data());
    pointers.push_back(nullptr);
    ::execv(LOOMWARD_PROGRAM, pointers.data());
    ::_exit(127);
}

// What arrives at a terminal, until the program has left it.
std::string drained(int terminal) {
    std::string text;
    char bytes[4096];
    for (ssize_t got; (got = ::read(terminal, bytes, sizeof bytes)) > 0;)
        text.append(bytes, static_cast<std::size_t>(got));
    std::erase(text, '\r');
    return text;
}

}  // namespace

Folder::Folder() {
    std::string pattern = (std::filesystem::temp_directory_path() / "loomward-test-XXXXXX").string();
    if (!::mkdtemp(pattern.data())) throw std::runtime_error("cannot make a folder");
    path_ = pattern;
}

Folder::~Folder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
}

void Folder::write(const std::string& name, const std::string& text) const {
    std::ofstream(path_ / name, std::ios::binary) << text;
}

std::string Folder::read(const std::string& name) const {
    return whole(path_ / name);
}

std::vector<std::string> Folder::names() const {
    std::vector<std::string> names;
    for (const auto& entry : std::filesystem::directory_iterator(path_))
        names.push_back(entry.path().filename().string());
    std::sort(names.begin(), names.end());
    return names;
}

Ending run(const Folder& folder, const std::vector<std::string>& arguments, const Streams& streams) {
    const Folder captured;
    captured.write("in", streams.input);
    const int input = opened(captured.path() / "in", O_RDONLY);
    const int trouble = opened(captured.path() / "err", O_WRONLY | O_CREAT);
    int terminal = -1, output = -1;
    if (streams.terminal) {
        if (::openpty(&terminal, &output, nullptr, nullptr, nullptr) != 0)
            throw std::runtime_error("no terminal");
    } else {
        output = streams.output_to.empty() ? opened(captured.path() / "out", O_WRONLY | O_CREAT)
                                           : opened(streams.output_to, O_WRONLY);
    }
    const pid_t child = ::fork();
    if (child == 0) become_program(folder, arguments, streams, input, output, trouble);
    for (const int descriptor : {input, trouble, output}) ::close(descriptor);

    Ending ending;
    if (streams.terminal) {
        ending.out = drained(terminal);
        ::close(terminal);
    }
    int status = 0;
    ::waitpid(child, &status, 0);
    if (WIFEXITED(status)) ending.code = WEXITSTATUS(status);
    if (!streams.terminal && streams.output_to.empty()) ending.out = captured.read("out");
    ending.trouble = captured.read("err");
    return ending;
}

}  // namespace program
