// Reading and writing whole files. Nothing here prints; trouble comes back as a sentence.
#pragma once
#include <string>
#include <string_view>

namespace loomward::cli {

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

// A folder of that name, with those above it; it may be there already. Empty, or what went wrong.
std::string make_folder(const std::string& path);

// Whether both names lead to one file that is there.
bool is_same_file(const std::string& a, const std::string& b);

}  // namespace loomward::cli
