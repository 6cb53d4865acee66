// Where the reader's texts come from, and what it has to be told besides.
#pragma once
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace loomward {

// Where `use` looks for files. Tests give an in-memory one.
class FileReader {
  public:
    virtual ~FileReader() = default;
    // The whole file, or nullopt where there is none that can be read.
    virtual std::optional<std::string> read(const std::string& path) = 0;
    // Names of the .loom files beside `path`, for a suggestion; sorted.
    virtual std::vector<std::string> beside(const std::string& path) = 0;
};

struct ReadOptions {
    // Names that `accept` may use; the checker owns the list, so the caller passes it in.
    std::span<const std::string_view> rules;
};

}  // namespace loomward
