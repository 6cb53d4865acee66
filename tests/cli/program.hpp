// Runs the built program as a user would: in a folder of its own, with files as streams.
#pragma once
#include <filesystem>
#include <map>
#include <string>
#include <vector>

namespace program {

// A folder that goes away with its owner.
class Folder {
  public:
    Folder();
    ~Folder();
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;

    const std::filesystem::path& path() const { return path_; }
    void write(const std::string& name, const std::string& text) const;
    std::string read(const std::string& name) const;
    std::vector<std::string> names() const;  // of what is in it, sorted

  private:
    std::filesystem::path path_;
};

// Path of a file of examples/: "market-cart".
inline std::string example(const std::string& name) {
    return LOOMWARD_SOURCE_DIR "/examples/" + name + ".loom";
}

struct Streams {
    std::string input{};                               // what standard input holds
    std::string output_to{};                           // a path instead of a captured file, e.g. "/dev/full"
    bool terminal = false;                             // standard output is a terminal (short outputs only)
    bool output_closed = false;                        // as with >&-
    std::size_t memory_bytes = 0;                      // limit of the address space; 0: none
    std::map<std::string, std::string> environment{};  // on top of an environment without NO_COLOR
};

struct Ending {
    int code = -1;  // -1: it did not end by itself
    std::string out;
    std::string trouble;  // standard error
};

Ending run(const Folder& folder, const std::vector<std::string>& arguments, const Streams& streams = {});

}  // namespace program
