/** Words with line and column; problems, collected and sorted; the nearest known word. */
package linnet.text;
