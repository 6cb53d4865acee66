// The only place that knows Graphviz: plain boxes and links in, columns and heights out. Nothing of it is
// drawn. One layout at a time: the library is not thread-safe.
#pragma once
#include <compare>
#include <cstddef>
#include <optional>
#include <vector>

namespace loomward::sheet {

// First question: which column each thing stands in.
struct ColumnQuestion {
    struct Edge {
        int left = 0, right = 0;
        int weight = 1;
        auto operator<=>(const Edge&) const = default;
    };
    int count = 0;
    std::vector<Edge> edges;
    std::vector<int> leftmost, rightmost;  // each shares a column; nothing stands beyond it
    std::vector<std::vector<int>> same;    // each list shares a column
    auto operator<=>(const ColumnQuestion&) const = default;
};
// Columns from 0, by index of the thing; without gaps. nullopt if the library failed.
std::optional<std::vector<int>> ask_columns(const ColumnQuestion& question);

// Second question: how high each node stands, columns being settled.
struct HeightQuestion {
    struct Node {
        double width = 0, height = 0;  // mm
        std::vector<double> ports;     // mm below its top
        int column = 0;
        int cluster = -1;  // nodes of one cluster stay together in their column
        auto operator<=>(const Node&) const = default;
    };
    struct Edge {  // from one column to the next
        int left = 0, right = 0;
        double left_port = 0, right_port = 0;
        int weight = 1;
        auto operator<=>(const Edge&) const = default;
    };
    std::vector<Node> nodes;
    std::vector<Edge> edges;
    double gap = 0.35;            // mm between neighbours of a column
    double cluster_margin = 1.0;  // mm
    auto operator<=>(const HeightQuestion&) const = default;
};
// Top of each node in mm, y down. nullopt if the library failed or complained.
std::optional<std::vector<double>> ask_heights(const HeightQuestion& question);

}  // namespace loomward::sheet
