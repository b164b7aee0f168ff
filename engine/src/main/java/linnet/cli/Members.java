package linnet.cli;

import java.util.ArrayList;
import java.util.List;

/** The parts of a group as a terminal shows them: names that differ in their numbers alone are layers of one line, and begin a line of their own. */
record Members(List<String> names) {
    /** What is left of 80 columns beside the name of the group. */
    private static final int COLUMNS = 61;

    /** @param after what comes right behind the last of them */
    List<String> lines(String after) {
        String all = String.join(", ", names) + after;
        if (all.length() <= COLUMNS) return List.of(all);
        List<String> lines = new ArrayList<>();
        StringBuilder line = new StringBuilder();
        for (int k = 0; k < names.size(); k++) {
            String name = names.get(k) + (k + 1 < names.size() ? "," : after);
            boolean other = k > 0 && !isLike(k - 1, k) && (k > 1 && isLike(k - 2, k - 1) || k + 1 < names.size() && isLike(k, k + 1));
            if (line.length() > 0 && (other || line.length() + 1 + name.length() > COLUMNS)) {
                lines.add(line.toString());
                line.setLength(0);
            }
            line.append(line.length() > 0 ? " " : "").append(name);
        }
        lines.add(line.toString());
        return lines;
    }

    private boolean isLike(int one, int other) {
        return kind(names.get(one)).equals(kind(names.get(other)));
    }

    private static String kind(String name) {
        return name.replaceAll("[0-9]+", "0");
    }
}
