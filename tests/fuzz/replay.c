/* Replays collected inputs through a fuzz target without a fuzzer: replay_NAME FILE|DIRECTORY ...
 * Says each file before it is run, so that the last one said is the one that crashed. No file at all is a failure. */
#include <dirent.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static int replay_file(const char *path)
{
    FILE *file = fopen(path, "rb");
    if (!file || fseek(file, 0, SEEK_END))
        return perror(path), exit(2), 0;
    long size = ftell(file);
    uint8_t *data = size < 0 ? NULL : malloc((size_t)size + !size);
    rewind(file);
    if (!data || fread(data, 1, (size_t)size, file) != (size_t)size)
        return perror(path), exit(2), 0;
    fclose(file);
    fprintf(stderr, "%s\n", path);
    LLVMFuzzerTestOneInput(data, (size_t)size);
    free(data);
    return 1;
}

static int replay(const char *path)
{
    DIR *dir = opendir(path);
    if (!dir)
        return replay_file(path);
    int count = 0;
    for (struct dirent *entry; (entry = readdir(dir));) {
        char inside[4096];
        if (entry->d_name[0] == '.')
            continue;
        snprintf(inside, sizeof inside, "%s/%s", path, entry->d_name);
        count += replay(inside);
    }
    closedir(dir);
    return count;
}

int main(int count, char **paths)
{
    int files = 0;
    for (int i = 1; i < count; i++)
        files += replay(paths[i]);
    printf("%d files replayed\n", files);
    return files ? 0 : 1;
}
