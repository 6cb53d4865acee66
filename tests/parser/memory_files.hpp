// Files in memory, for tests of the reader.
#pragma once
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "parser/read.hpp"

namespace loomward {

class MemoryFiles final : public FileReader {
  public:
    MemoryFiles() = default;
    MemoryFiles(std::initializer_list<std::pair<const std::string, std::string>> files) : files_(files) {}

    std::optional<std::string> read(const std::string& path) override {
        const auto found = files_.find(path);
        if (found == files_.end()) return std::nullopt;
        ++reads[path];
        return found->second;
    }
    std::vector<std::string> beside(const std::string&) override {
        std::vector<std::string> names;
        for (const auto& [path, text] : files_) names.push_back(path);
        return names;
    }

    std::map<std::string, int> reads;  // how often each was asked for

  private:
    std::map<std::string, std::string> files_;
};

}  // namespace loomward
