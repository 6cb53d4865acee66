// Files on disk, for those who do not bring their own.
#pragma once
#include <memory>

#include "parser/read.hpp"

namespace loomward {

// Reads from the file system, relative to the working directory. Folders and unreadable files are "no file".
std::unique_ptr<FileReader> disk_reader();

}  // namespace loomward
