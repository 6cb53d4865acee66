// Texts of the tree that are made from the program. A test compares them; with LOOMWARD_APPROVE=1 in the
// environment it writes them instead, and fails nothing: read the difference before committing it.
#pragma once
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <string>

namespace approved {

inline std::string read(const std::string& name) {
    std::ifstream file(LOOMWARD_SOURCE_DIR "/" + name, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

// What the file holds; where approval is asked for, after it was given `text`.
inline std::string compare_with(const std::string& name, const std::string& text) {
    const char* approve = std::getenv("LOOMWARD_APPROVE");
    if (approve && *approve == '1') std::ofstream(LOOMWARD_SOURCE_DIR "/" + name, std::ios::binary) << text;
    return read(name);
}

}  // namespace approved
