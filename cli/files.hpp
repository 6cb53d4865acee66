// Reading and writing whole files. Nothing here prints; trouble comes back as a sentence.
#pragma once
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "parser/read.hpp"

namespace loomward {

// Larger files are refused: the largest harness that flies needs a seventh of this.
inline constexpr std::size_t largest_file_bytes = 64u << 20;

// `trouble` is empty exactly if `text` is the whole file.
struct LoadedFile {
    std::string text;
    std::string trouble;  // "there is no file 'crat.loom'"
    std::string help;     // "there is a file 'cart.loom'"
};

// The whole file, or standard input for "-".
LoadedFile load_file(const std::string& path);

// Writes `bytes` so that the file is either whole or as it was: into a new file in the same folder, which
// then takes the place (and the permissions) of the old one. What is no regular file (a pipe, a device) is
// written directly. Empty, or what went wrong: "cannot write 'x/sheet.svg': No such file or directory".
std::string replace_file(const std::string& path, std::string_view bytes);

// Files that a harness uses, from the disk.
class DiskReader : public FileReader {
  public:
    std::optional<std::string> read(const std::string& path) override;
    std::vector<std::string> beside(const std::string& path) override;
};

}  // namespace loomward
