// Files on disk, for those who do not bring their own.
#pragma once
#include <cstddef>
#include <memory>

#include "parser/text/files.hpp"

namespace loomward {

// Larger files are refused: the largest harness that flies needs a seventh of this.
inline constexpr std::size_t largest_file_bytes = std::size_t{64} << 20;

// Reads from the file system, relative to the working directory. Folders, unreadable files and files that are
// too large (or never end) are "no file".
std::unique_ptr<FileReader> disk_reader();

}  // namespace loomward
